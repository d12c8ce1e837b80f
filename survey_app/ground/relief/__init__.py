"""The ground: how high it is at a point, under an outline, and along many straight lines at once."""
