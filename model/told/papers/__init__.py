"""The papers: one short sheet for each reader, made from a job's folder."""
