"""The general scheduler: what may begin when, on few hands and one oven. It knows no bread and reads no clock."""
