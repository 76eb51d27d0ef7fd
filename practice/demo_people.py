"""Who signs in to the demo practice. The one place that holds the demo's password."""

DEMO_PASSWORD = "barley-in-the-bowl"
DEMO_USERS = (
    ("robin", "Robin", "Ashgrove", "practitioner"),
    ("sam", "Sam", "Pettle", "staff"),
    ("vera", "Vera", "Lunt", "viewer"),
)
SIGN_IN_FILE = "demo-sign-in.txt"


def sign_in_text() -> str:
    lines = [f"  {username} ({role})" for username, _, _, role in DEMO_USERS]
    return "\n".join(["Demo sign-in, password " + DEMO_PASSWORD + ":", *lines])
