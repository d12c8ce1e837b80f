"""The plan on the screen: painter, view, furniture, live overlay."""
