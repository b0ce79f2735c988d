"""The wheel on a screen: the sheet's drawing, a list of every entry, the page around them."""
