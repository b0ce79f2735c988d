"""The sheet's letters: font files, and lines of text shaped into glyphs with their outlines."""
