"""Section, title block, sheet preview, start page: what stands beside and instead of the plan."""
