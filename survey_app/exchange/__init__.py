"""What comes in as files of other trades."""
