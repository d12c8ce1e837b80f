"""The window: canvas, panels, commands; no engineering, and the only home of Qt."""
