"""What `scripts/run` does; standard library only, since it runs before the environment exists."""
