"""What rules of any country work out alike, from tables of no country."""
