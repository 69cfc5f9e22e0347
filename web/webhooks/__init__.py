"""Messages to addresses that a club named: made, signed, and sent nowhere but to the public net."""
