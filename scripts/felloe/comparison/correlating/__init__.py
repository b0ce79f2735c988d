"""How far the tables of two populations go together, as they are and less their noise."""
