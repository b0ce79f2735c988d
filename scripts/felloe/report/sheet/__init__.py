"""The sheet: hub, spokes, rim and felloes laid out once, then written as SVG, PDF and PNG."""
