"""What people sorted: piles, counts of them, pairs of people and halves of them."""
