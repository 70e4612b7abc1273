"""The test sheet: what each test should read, whether it may, and what it means where it reads something else."""
