"""Light on the worktop, what the eye meets, and what falls off along a leg."""
