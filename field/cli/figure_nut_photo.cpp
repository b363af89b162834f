// `figure nut-photo IMAGE`: the angle between the marks on a photo of the nut.
#include "engine/base/numbers.h"
#include "engine/fit/nut_edge.h"
#include "field/camera/grey.h"
#include "field/cli/figure.h"

#include <algorithm>

namespace field::cli {
namespace {

using namespace engine;

/// "812,604", with or without "px".
Result<Pixel> pixel_from(std::string_view text)
{
    const std::string given(text.substr(0, 64));
    const auto        comma = text.find(',');
    if (text.size() > 2 && text.substr(text.size() - 2) == "px") text.remove_suffix(2);
    if (comma != std::string_view::npos && comma < text.size()) {
        const auto x = parse_number(text.substr(0, comma)), y = parse_number(text.substr(comma + 1));
        if (x && y) return Pixel{*x, *y};
    }
    return failure(Fault::bad_input,
                   "'" + given + "' is not a place on the photo; give it in pixels as x,y.");
}

Pixel pixel(Options& given, const std::string& name, const std::string& text)
{
    auto p = pixel_from(text);
    if (p) return *p;
    Failure failure       = p.failure();
    failure.error.message = "--" + name + ": " + failure.error.message;
    given.blame(std::move(failure));
    return {};
}

NutMarks marks_from(Options& given)
{
    NutMarks marks;
    marks.shaft_mark = pixel(given, "shaft-mark", given.text("shaft-mark"));
    marks.nut_mark   = pixel(given, "nut-mark", given.text("nut-mark"));
    if (given.has("centre")) marks.centre = pixel(given, "centre", given.text("centre"));
    if (given.has("shaft-centre"))
        marks.shaft_centre = pixel(given, "shaft-centre", given.text("shaft-centre"));
    marks.height   = given.bare("height", marks.height);
    marks.u_tap_px = given.bare("u-tap", marks.u_tap_px);
    return marks;
}

Result<PhotoEllipse> edge_of(Options& given, const camera::GreyPicture& photo, const NutMarks& marks,
                             Answer& answer)
{
    if (given.has("edge")) {
        std::vector<Pixel> points;
        for (const std::string& text : given.list("edge"))
            points.push_back(pixel(given, "edge", text));
        if (given.trouble()) return *given.trouble();
        const double usual = std::max(1.0, 0.001 * std::max(photo.width, photo.height));
        return fit_ellipse(points, marks.u_tap_px > 0 ? marks.u_tap_px : usual);
    }
    const auto found =
        find_nut_edge({photo.pixels, photo.width, photo.height}, {marks.centre, marks.nut_mark});
    if (!found) return found.failure();
    answer.note("The edge was found by the program: see that it is the nut's before relying on the angle.");
    answer.number("edge_coverage", found->coverage, "of its round", 2);
    return found->ellipse;
}

Status nut_photo(Options& given, Answer& answer)
{
    NutMarks marks = marks_from(given);
    if (given.trouble()) return *given.trouble();
    const auto photo = camera::read_grey(given.text("IMAGE"));
    if (!photo) return photo.failure();
    marks.image_width_px = std::max(photo->width, photo->height);
    const auto edge      = edge_of(given, *photo, marks, answer);
    if (!edge) return edge.failure();
    const auto found = angle_on_photo(*edge, marks);
    if (!found) return found.failure();
    answer.number("angle_deg", found->angle.value, "degrees, clockwise from the shaft mark to the nut mark",
                  2);
    answer.number("tilt_deg", found->tilt.value, "degrees", 1);
    answer.number("u_deg", found->u.value, "degrees (standard uncertainty)", 2);
    answer.number("parallax_deg", found->parallax.value, "degrees of it, the height of the shaft's end", 2);
    answer.number("edge_x_px", edge->centre.x, "px", 1);
    answer.number("edge_y_px", edge->centre.y, "px", 1);
    answer.number("edge_major_px", edge->major_px, "px, half axis", 1);
    answer.number("edge_minor_px", edge->minor_px, "px, half axis", 1);
    answer.text("source",
                "ellipse by least squares of Halir and Flusser (from memory); height of the shaft's end and "
                "limit of the slant: common practice");
    if (found->slanted)
        answer.note("The photo is taken more than " + fixed(kMostSlant.value, 0) +
                    " degrees off the axis: take it from the front.");
    if (!marks.centre)
        answer.note(
            "Without --centre a photo taken close up and at a slant is uncertain: tap the centre of the "
            "nut's face, or take the photo straight on.");
    return Unit{};
}

} // namespace

void add_figure_nut_photo(CLI::App& figure, Outcome& outcome)
{
    CLI::App& topic = *figure.add_subcommand(
        "nut-photo", "angle between the marks on shaft and nut, from a photo at a slant");
    const auto options = std::make_shared<Options>();
    options->add_file(topic, "IMAGE", "the photo, JPEG or PNG");
    options->add_list(topic, "edge",
                      "x,y of a point on the round edge of the nut, five or more; found by the "
                      "program when not given",
                      1, 500);
    options->add(topic, "centre", "x,y of the centre of the nut's face; wanted for a close-up at a slant");
    options->add(topic, "shaft-mark", "x,y of the mark on the shaft", true);
    options->add(topic, "nut-mark", "x,y of the mark on the nut", true);
    options->add(topic, "shaft-centre",
                 "x,y of the centre of the shaft's end; takes its height out of the doubt");
    options->add(topic, "height",
                 "most the shaft's end may stand from the nut's face, in nut radii; 0.2 when not given");
    options->add(topic, "u-tap", "standard uncertainty of a tap in px; half a painted mark when not given");
    run_topic(topic, outcome, options, nut_photo);
}

} // namespace field::cli
