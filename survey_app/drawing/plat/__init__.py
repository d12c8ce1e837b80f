"""The whole plan of a site: what is shown at which scale, where its words stand, what lies under a point."""
