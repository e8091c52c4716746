"""How large the race of `stock_race` is."""

AT_ONCE = 6
KITS = 8
ENOUGH_FOR = 5
