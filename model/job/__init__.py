"""What was said: the survey, the choices, the allowances and the parts."""
