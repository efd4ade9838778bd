"""Light from lines of LEDs: plain functions, plain floats in SI and photometric units."""
