"""Maps as printed sheets: ground or dots, lines of equal value, numbers where there is room, a key."""
