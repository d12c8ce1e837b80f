"""Sheets, schedule and tally: reads Site and Assessment, writes PDF, XLSX, CSV."""
