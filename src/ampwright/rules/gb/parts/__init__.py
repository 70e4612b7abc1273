"""What several GB rules work out alike, each from tables of this country."""
