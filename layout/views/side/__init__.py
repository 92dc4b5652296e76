"""The side view: everything that lies in the frame's plane, and the blocks beside it."""
