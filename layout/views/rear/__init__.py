"""The rear end: chain stays in plan, seat stays in true shape, and the sheet they share."""
