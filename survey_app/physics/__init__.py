"""Published formulas on numbers and arrays; knows nothing of a site."""
