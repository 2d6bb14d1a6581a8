"""What is otherwise on the due list since another day's stood in its place: new, gone, moved, and whose record did it."""
