"""What a journal needs of the disk: its place, whole copies, a reserve, the lock for the alarm."""
