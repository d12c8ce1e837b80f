"""Plan, section and pattern as shapes with roles; no painter."""
