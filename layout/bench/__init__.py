"""What is worked out for the bench but not drawn: settings, cut list, tape checks, the fixture's plates."""
