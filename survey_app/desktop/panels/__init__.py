"""The notes column and the tables: forms and lists of what the document holds."""
