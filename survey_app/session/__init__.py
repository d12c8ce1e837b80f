"""One open document without a window: current site, history, memo."""
