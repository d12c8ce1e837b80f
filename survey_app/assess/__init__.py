"""Site + gear + rules -> Assessment; the only place where site and physics meet."""
