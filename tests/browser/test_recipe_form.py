"""The recipe's form with its scripts: order by drag and keys, undo and redo, and the draft that was kept."""

from playwright.sync_api import expect


def foods(page) -> list[str]:
    return [field.input_value() for field in page.locator("#lines .line-name input").all()]


def in_earnest(complaints: list[str]) -> list[str]:
    """Without a panel's request that a newer one replaced, which htmx reports in the console."""
    return [said for said in complaints if not said.startswith(("htmx:sendAbort", "htmx:afterRequest"))]


def drag(page, line: int, onto: int) -> None:
    """A line by its grip onto the middle of another, counted from 0."""
    grips = page.locator("#lines .grip")
    grips.nth(onto).scroll_into_view_if_needed()
    start, end = grips.nth(line).bounding_box(), page.locator("#lines .line").nth(onto).bounding_box()
    page.mouse.move(start["x"] + 5, start["y"] + 5)
    page.mouse.down()
    page.mouse.move(start["x"] + 5, end["y"] + end["height"] * 0.8, steps=4)
    page.mouse.up()


def test_order_undo_and_a_draft_that_outlives_its_tab(signed_in_page, program, complaints, context):
    page = signed_in_page
    page.goto(f"{program}/recipes/1/edit/")
    first, second, third, *rest = foods(page)

    drag(page, 0, 1)
    expect(page.locator("#form-said")).to_contain_text("number 2 of")
    assert foods(page) == [second, first, third, *rest]
    page.keyboard.press("ArrowDown")  # on the grip, which kept the focus
    expect(page.locator("#form-said")).to_contain_text("number 3 of")
    assert foods(page) == [second, third, first, *rest]

    amount = page.locator("#lines .line-amount input").first
    before = amount.input_value()
    amount.fill("777")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#form-said")).to_contain_text("undone")
    expect(amount).to_have_value(before)
    page.keyboard.press("Control+z")  # outside of a text field
    expect(page.locator("#lines .line-name input").nth(1)).to_have_value(first)
    page.keyboard.press("Control+Shift+Z")
    expect(page.locator("#lines .line-name input").nth(1)).to_have_value(third)
    page.get_by_role("button", name="Redo").click()
    expect(amount).to_have_value("777")

    page.get_by_label("Title").fill("Never saved")
    page.wait_for_function("() => Object.values(localStorage).some((kept) => kept.includes('Never saved'))")
    page.close()
    page = context.new_page()
    page.goto(f"{program}/recipes/1/edit/")
    expect(page.locator("#draft-offer")).to_contain_text("not saved")
    page.get_by_role("button", name="Restore it").click()
    expect(page.get_by_label("Title")).to_have_value("Never saved")
    assert foods(page) == [second, third, first, *rest]
    expect(page.locator("#draft-offer")).to_be_hidden()
    page.get_by_role("button", name="Save draft").click()
    expect(page.get_by_role("status").first).to_contain_text("Saved as version")
    page.goto(f"{program}/recipes/1/edit/")
    expect(page.locator("#draft-offer")).to_be_hidden()
    assert in_earnest(complaints) == []


def test_the_units_of_a_line_follow_its_food(signed_in_page, program, complaints):
    page = signed_in_page
    page.goto(f"{program}/recipes/new/")
    page.get_by_label("Food of line 1").fill("Pearled barley, cooked")
    page.get_by_label("Amount of line 1").fill("1.5")
    page.get_by_label("Unit of line 1").select_option("cup")
    # 1 cup of cooked pearled barley weighs 157 g (USDA SR Legacy, NDB 20006)
    expect(page.locator("#line-weight-0")).to_have_text("= 235.5 g")
    assert in_earnest(complaints) == []
