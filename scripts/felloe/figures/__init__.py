"""draw_x(ax, data): finished numbers to axes; nothing is read, nothing is saved here."""
