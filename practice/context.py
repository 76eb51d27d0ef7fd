"""What every template may use."""


def practice_profile(request) -> dict:
    return {"practice": request.practice}
