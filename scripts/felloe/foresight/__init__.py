"""What a study may be expected to show, before there is any: invented people of stated habits."""
