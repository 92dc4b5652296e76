"""Reading written files back with code that shares nothing with the writers, and comparing."""
