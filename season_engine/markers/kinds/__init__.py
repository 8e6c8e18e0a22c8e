"""One module a kind of marker, or a few that share their code; each is found by standing here."""
