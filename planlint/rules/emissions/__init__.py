"""Wide emissions and sets that tune themselves."""
