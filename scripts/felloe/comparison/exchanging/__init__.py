"""Tests that exchange people between populations: what they need, and what they find."""
