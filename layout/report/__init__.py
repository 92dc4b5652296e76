"""What is said in words and tables of a result; it is shown by the terminal and written on records."""
