"""A paper as plain text, as a page of HTML, as PDF, and its tables for a spreadsheet."""
