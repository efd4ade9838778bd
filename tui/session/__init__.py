"""What the wizard holds: the job, where one stands in it, the way back. No terminal here."""
