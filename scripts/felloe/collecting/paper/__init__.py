"""The kit on paper: what is asked, cards to cut out, and a sheet to note the piles on."""
