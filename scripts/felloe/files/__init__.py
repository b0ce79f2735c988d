"""One module per file format, read_x beside write_x."""
