"""What the select tool does while the button is down: one object a gesture, which commits once."""
