"""How the terms of two editions are linked: what is said, what cannot be, what may be meant."""
