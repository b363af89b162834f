#include "field/kit/keypad_state.h"

#include <algorithm>
#include <array>
#include <cctype>

namespace field::kit {
namespace {

using engine::UnitOf;

constexpr std::size_t kLongest     = 12; ///< more digits than any instrument shows
constexpr std::size_t kLongestCode = 24;
constexpr std::array  kPages{std::string_view("0123456789"), std::string_view("ABCDEFGHIJK"),
                            std::string_view("LMNOPQRSTUV"), std::string_view("WXYZ")};

bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

bool is_denominator(std::string_view text)
{
    constexpr std::array<std::string_view, 6> denominators{"2", "4", "8", "16", "32", "64"};
    return std::find(denominators.begin(), denominators.end(), text) != denominators.end();
}

} // namespace

std::string_view letters_of_page(int page)
{
    return page >= 0 && page <= kLetterPages ? kPages[static_cast<std::size_t>(page)] : std::string_view{};
}

bool KeypadState::is_length() const
{
    return unit_ == UnitOf::mm || unit_ == UnitOf::inch || unit_ == UnitOf::thou;
}

bool KeypadState::allows(std::string_view key) const
{
    KeypadState trial = *this;
    return trial.press(key);
}

bool KeypadState::press(std::string_view key)
{
    const KeypadState before = *this;
    bool              done   = false;
    if (source_ == Source::device && key != "page") { // keys after a gauge: a new reading by hand
        text_.clear();
        stage_  = Stage::whole;
        source_ = Source::keys;
        if (key == "erase") return true;
    }
    if (key.size() == 1 && is_digit(key[0]))
        done = press_digit(key[0]);
    else if (key.size() == 1 && key[0] >= 'A' && key[0] <= 'Z') {
        done = mode_ == PadMode::code && text_.size() < kLongestCode;
        if (done) text_ += key;
    } else if (key == ".") {
        done = (mode_ == PadMode::decimal || mode_ == PadMode::angle) &&
               text_.find('.') == std::string::npos && text_.size() < kLongest;
        if (done) text_ += text_.empty() || text_ == "-" ? "0." : ".";
    } else if (key == "-") {
        if (mode_ == PadMode::code)
            text_ += '-', done = text_.size() <= kLongestCode;
        else if (mode_ != PadMode::fraction) { // changes the sign, wherever the number stands
            if (!text_.empty() && text_[0] == '-')
                text_.erase(0, 1);
            else
                text_.insert(0, "-");
            done = true;
        }
    } else if (key == "erase")
        done = erase();
    else if (key == "frac")
        done = start_fraction();
    else if (key == "unit")
        done = next_unit();
    else if (key == "page" && mode_ == PadMode::code)
        page_ = (page_ + 1) % (kLetterPages + 1), done = true;
    else if (key.starts_with("den."))
        done = press_denominator(key.substr(4));
    if (!done) *this = before;
    return done;
}

bool KeypadState::press_digit(char digit)
{
    const std::size_t room = mode_ == PadMode::code ? kLongestCode : kLongest;
    if (text_.size() >= room) return false;
    if (mode_ == PadMode::fraction && stage_ == Stage::denominator) return false;
    if (mode_ == PadMode::angle) {
        const auto point = text_.find('.');
        if (point != std::string::npos && text_.size() - point > 1) return false;
    }
    if (mode_ == PadMode::fraction && stage_ == Stage::numerator) { // goes before the stroke: "2-1|/16"
        const auto stroke = text_.find('/');
        const auto begin  = text_.find('-') == std::string::npos ? 0 : text_.find('-') + 1;
        if (stroke - begin >= 2 || (stroke == begin && digit == '0')) return false;
        text_.insert(stroke, 1, digit);
        return true;
    }
    if (mode_ != PadMode::code && (text_ == "0" || text_ == "-0")) text_.pop_back(); // "07" is 7
    text_ += digit;
    return true;
}

bool KeypadState::start_fraction()
{
    if (!is_length()) return false;
    const bool whole = std::all_of(text_.begin(), text_.end(), is_digit);
    if (mode_ == PadMode::fraction && stage_ != Stage::whole) return false;
    if (!whole) return false; // 2.5 and a fraction is no number
    // Digits keyed as mm or thou would change their meaning: start over. Inches stay.
    if (unit_ != UnitOf::inch) text_.clear();
    mode_  = PadMode::fraction;
    unit_  = UnitOf::inch;
    stage_ = Stage::denominator;
    return true;
}

bool KeypadState::press_denominator(std::string_view denominator)
{
    if (mode_ != PadMode::fraction || stage_ != Stage::denominator || !is_denominator(denominator))
        return false;
    if (!text_.empty()) text_ += '-';
    text_ += '/';
    text_ += denominator;
    stage_ = Stage::numerator;
    return true;
}

bool KeypadState::erase()
{
    if (mode_ != PadMode::fraction) {
        if (text_.empty()) return false;
        text_.pop_back();
        return true;
    }
    const auto stroke = text_.find('/');
    if (stage_ == Stage::numerator && stroke > 0 && is_digit(text_[stroke - 1])) {
        text_.erase(stroke - 1, 1); // the last digit of the numerator
    } else if (stage_ == Stage::numerator) {
        text_.erase(stroke > 0 ? stroke - 1 : 0); // the denominator and its dash
        stage_ = Stage::denominator;
    } else if (stage_ == Stage::denominator) { // back to a plain number of inches
        stage_ = Stage::whole;
        mode_  = first_mode_ == PadMode::fraction ? PadMode::fraction : PadMode::decimal;
    } else if (!text_.empty())
        text_.pop_back();
    else
        return false;
    return true;
}

bool KeypadState::next_unit()
{
    if (!is_length()) return false;
    unit_  = unit_ == UnitOf::mm ? UnitOf::inch : unit_ == UnitOf::inch ? UnitOf::thou : UnitOf::mm;
    mode_  = PadMode::decimal;
    stage_ = Stage::whole;
    text_.clear();
    return true;
}

bool KeypadState::feed(char character)
{
    if (character == '\n' || character == '\r') return source_ == Source::device && !text_.empty();
    if (character == '\b') {
        erase();
        return false;
    }
    if (source_ == Source::keys) clear();
    source_      = Source::device;
    const auto c = static_cast<char>(std::toupper(static_cast<unsigned char>(character)));
    if (mode_ == PadMode::code) {
        if ((is_digit(c) || (c >= 'A' && c <= 'Z') || c == '-') && text_.size() < kLongestCode) text_ += c;
        return false;
    }
    const bool point = (c == '.' || c == ',') && text_.find('.') == std::string::npos;
    const bool minus = c == '-' && text_.empty();
    if (text_.size() >= kLongest) return false;
    if (is_digit(c) || minus)
        text_ += c;
    else if (point)
        text_ += text_.empty() || text_ == "-" ? "0." : ".";
    return false;
}

void KeypadState::clear()
{
    text_.clear();
    mode_   = first_mode_;
    stage_  = Stage::whole;
    source_ = Source::keys;
    page_   = 0;
}

engine::Result<engine::Entered> KeypadState::entered() const
{
    if (mode_ == PadMode::code) {
        if (text_.empty()) return engine::failure(engine::Fault::bad_input, "Nothing has been keyed in yet.");
        return engine::Entered{text_, UnitOf::text, 0};
    }
    const auto stroke = text_.find('/');
    if (stroke != std::string::npos) {
        const auto dash      = text_.find('-');
        const auto begin     = dash == std::string::npos ? 0 : dash + 1;
        const auto numerator = text_.substr(begin, stroke - begin);
        if (numerator.empty())
            return engine::failure(engine::Fault::bad_input, "The upper number of the fraction is missing.");
        if (std::stoi(numerator) >= std::stoi(text_.substr(stroke + 1)))
            return engine::failure(engine::Fault::bad_input,
                                   "The upper number of the fraction must be the smaller one.");
    }
    return engine::enter(text_, unit_);
}

bool KeypadState::complete() const
{
    return entered().has_value();
}

std::string KeypadState::echo() const
{
    if (!is_length() || mode_ == PadMode::code || mode_ == PadMode::integer) return {};
    const auto value = entered();
    if (!value) return {};
    if (unit_ == UnitOf::mm)
        return engine::fixed(engine::from_si(value->si, UnitOf::inch), 4) + " " +
               std::string(engine::unit_symbol(UnitOf::inch));
    // Lengths are whole tenths of a micrometre: half a micrometre goes up, as it does on paper.
    const std::int64_t micrometres = (value->si + (value->si < 0 ? -5 : 5)) / 10;
    return engine::fixed(static_cast<double>(micrometres) / 1000.0, 3) + " " +
           std::string(engine::unit_symbol(UnitOf::mm));
}

} // namespace field::kit
