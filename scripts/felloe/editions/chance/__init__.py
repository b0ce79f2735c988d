"""What two halves of one study show, and what simulated editions show: the noise beside it all."""
