// The card that hangs beside a keypad: the program as it is typed, ticked off twice, and the set-up
// checklist on the page behind it.
#pragma once

#include <string>

#include "papers/sheet.h"
#include "planning/checklist.h"
#include "planning/keypad.h"

namespace bight::papers {

// The card's pages; the canvas must be at least A5 in size. Nothing is worked out here.
void draw_keypad_card(const planning::Plan& plan, const planning::KeypadTable& table,
                      const planning::Checklist& list, const SheetOptions& options, Canvas& canvas);

// The bytes of the files, as sheet_files. Failure code: papers.drawing.
base::Result<std::vector<std::string>> keypad_card_files(const planning::Plan& plan,
                                                         const planning::KeypadTable& table,
                                                         const planning::Checklist& list,
                                                         const SheetOptions& options,
                                                         Format format);

}  // namespace bight::papers
