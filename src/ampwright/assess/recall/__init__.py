"""Past jobs looked through: which hold what was asked, and which would be judged otherwise by newer rules."""
