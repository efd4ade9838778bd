"""What is shown of a plan: drawings in text, budgets, lists, JSON."""
