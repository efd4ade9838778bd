"""Light on the worktop and volts along a leg, as maps and curves."""
