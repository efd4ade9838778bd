"""Cable ways as a net of edges: shortest paths, cheapest chains and cheapest trees in it."""
