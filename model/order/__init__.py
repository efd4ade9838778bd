"""What is bought and cut: the order that follows from a plan."""
