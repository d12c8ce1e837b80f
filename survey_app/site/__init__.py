"""The document: frozen records, edits, file, migration, references check."""
