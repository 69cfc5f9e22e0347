"""Numbers stay as machines read them, in pictures and fields alike; a comma is put in by what says
an amount (`web.numbers_said`). Days and hours are as French has them."""

DECIMAL_SEPARATOR = "."
DATE_FORMAT = "j F Y"
TIME_FORMAT = "H:i"
