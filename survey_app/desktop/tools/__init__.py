"""What a hand does on the plan: one module a tool, each a gesture that commits once."""
