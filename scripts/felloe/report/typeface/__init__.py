"""Letters: font files, lines shaped into glyphs with their outlines, texts broken into lines."""
