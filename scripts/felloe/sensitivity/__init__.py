"""The classes under other reasonable choices."""
