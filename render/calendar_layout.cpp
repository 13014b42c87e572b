#include "render/calendar_layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "render/measure.hpp"

namespace wale::render {

namespace {

namespace dates = std::chrono;
using dates::days;

constexpr std::array weekday_names{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
constexpr Colour outside_ink{172, 172, 172}, rest_ink{190, 190, 190};

dates::year_month month_of(Day day) {
  const dates::year_month_day date{day};
  return {date.year(), date.month()};
}

/// A stretch of one band in one week: days from Monday on, in parts of a day.
struct Stretch {
  std::size_t band = 0;
  double from = 0, to = 0;
  bool begins = false, ends = false;  ///< the band does, here
};

/// The line from a band's end to its flag, in one week.
struct Trail {
  std::size_t band = 0;
  std::size_t lane = 0;
  double from = 0, to = 0;
  bool flagged = false;  ///< the flag stands at its end
};

struct Week {
  Day monday;
  std::string words;
  std::vector<Stretch> stretches;
  std::vector<Trail> trails;
  std::size_t lanes = 0;
};

class CalendarSetter {
 public:
  CalendarSetter(const Calendar& calendar, const PageStyle& style) : calendar_(calendar), style_(style) {
    const double scale = style.scale();
    small_ = 7.2 * scale;
    number_ = 8 * scale;
    band_ = 15 * scale;
    lane_ = 11.5 * scale;
    day_line_ = 12 * scale;
    left_ = 50 * scale;
    right_ = style.content_width() - 52 * scale;
  }

  std::vector<Fragment> run() {
    make_weeks();
    std::vector<Fragment> out;
    const auto head = std::make_shared<const Drawing>(weekdays());
    Fragment first{*head, style_.text_size, true, nullptr, 0};
    out.push_back(std::move(first));
    for (std::size_t i = 0; i < weeks_.size(); ++i) {
      drawing_ = Drawing{};
      drawing_.width = style_.content_width();
      drawing_.height = height_of(weeks_[i]);
      draw(weeks_[i]);
      out.push_back({std::move(drawing_), 0, false, head, 0});
    }
    return out;
  }

 private:
  double x_of(double day) const { return left_ + (right_ - left_) * day / 7; }
  double height_of(const Week& week) const {
    return day_line_ + band_ + 3 + static_cast<double>(week.lanes) * lane_ + 3;
  }

  // --- what stands in which week

  void make_weeks() {
    const Day begin = monday_of(calendar_.first);
    const auto count =
        std::min<long long>((monday_of(calendar_.last) - begin).count() / 7 + 1, most_calendar_weeks);
    for (long long i = 0; i < count; ++i) {
      Week week{begin + days{7 * i}, "", {}, {}, 0};
      if (static_cast<std::size_t>(i) < calendar_.weeks.size())
        week.words = calendar_.weeks[static_cast<std::size_t>(i)];
      weeks_.push_back(std::move(week));
    }
    for (std::size_t band = 0; band < calendar_.bands.size(); ++band) add_parts(band);
    add_trails();
  }

  Week* week_of(Day day) {
    const auto at = (day - weeks_.front().monday).count() / 7;
    return at >= 0 && at < static_cast<long long>(weeks_.size()) ? &weeks_[static_cast<std::size_t>(at)]
                                                                 : nullptr;
  }

  void add_parts(std::size_t band) {
    for (const CalendarBand::Part& part : calendar_.bands[band].parts) {
      Week* week = week_of(part.day);
      if (!week) continue;
      const auto at = static_cast<double>((part.day - week->monday).count());
      const double from = at + std::clamp(part.from, 0.0, 1.0), to = at + std::clamp(part.to, 0.0, 1.0);
      std::vector<Stretch>& all = week->stretches;
      if (!all.empty() && all.back().band == band && std::abs(all.back().to - from) < 1e-9)
        all.back().to = to;
      else
        all.push_back({band, from, to});
      all.back().begins |= &part == &calendar_.bands[band].parts.front();
      all.back().ends |= &part == &calendar_.bands[band].parts.back();
    }
  }

  /// Trails that lie beside each other in time get lanes below each other, the one that is flagged first on
  /// top.
  void add_trails() {
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < calendar_.bands.size(); ++i)
      if (calendar_.bands[i].flag) order.push_back(i);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return *calendar_.bands[a].flag < *calendar_.bands[b].flag;
    });
    for (Week& week : weeks_) {
      for (const std::size_t i : order) {
        const CalendarBand& band = calendar_.bands[i];
        const Day flag = *band.flag;
        double from = 0, to = 7;
        if (!band.parts.empty())
          from = static_cast<double>((band.parts.back().day - week.monday).count()) + band.parts.back().to;
        const double end = static_cast<double>((flag - week.monday).count()) + 1;
        if (end <= 0 || from >= 7 || flag < calendar_.first) continue;
        from = std::max(from, 0.0);
        to = std::min(to, end);
        Trail trail{i, 0, std::min(from, to), to, end <= 7};
        // A flag is as wide as a day, also where there is no time between.
        const double left = std::min(trail.from, trail.flagged ? to - 1 : trail.from);
        while (std::any_of(week.trails.begin(), week.trails.end(), [&](const Trail& other) {
          const double other_left = std::min(other.from, other.flagged ? other.to - 1 : other.from);
          return other.lane == trail.lane && other_left < to && left < other.to;
        }))
          ++trail.lane;
        week.lanes = std::max(week.lanes, trail.lane + 1);
        week.trails.push_back(trail);
      }
    }
  }

  Drawing weekdays() const {
    Drawing out;
    out.width = style_.content_width();
    out.height = small_ * style_.line_height + 2;
    const TextLook look{.size = small_, .bold = true, .anchor = Anchor::middle, .colour = quiet_ink};
    for (std::size_t i = 0; i < weekday_names.size(); ++i)
      add_text(out, {x_of(static_cast<double>(i) + 0.5), ascent * small_}, weekday_names[i], look);
    add_text(out, {out.width, ascent * small_},
             fit_text(calendar_.weeks_title, small_, out.width - right_ - 4, true),
             {.size = small_, .bold = true, .anchor = Anchor::end, .colour = quiet_ink});
    return out;
  }

  // --- one week

  bool inside(Day day) const { return day >= calendar_.first && day <= calendar_.last; }

  void draw(const Week& week) {
    const double height = height_of(week);
    grounds(week, height);
    grid(week, height);
    margin_words(week);
    for (const Stretch& each : week.stretches) stretch(each);
    for (const Trail& each : week.trails) trail(each);
  }

  void grounds(const Week& week, double height) {
    for (int i = 0; i < 7; ++i) {
      const Day day = week.monday + days{i};
      if (!inside(day)) continue;
      const Box box{x_of(i), 0, x_of(i + 1) - x_of(i), height};
      if (static_cast<unsigned>(month_of(day).month()) % 2 == 1)
        add_box(drawing_, box, std::nullopt, pale_ground);
      // Its words make way for a band.
      const bool free = std::none_of(week.stretches.begin(), week.stretches.end(),
                                     [&](const Stretch& each) { return each.from < i + 1 && each.to > i; });
      for (const CalendarRest& rest : calendar_.rests)
        if (day >= rest.first && day <= rest.last)
          hatch(box, free && (day == rest.first || i == 0) ? rest.words : "");
    }
  }

  /// Slanting lines, and the words where the rest, or its part in this week, begins.
  void hatch(const Box& box, const std::string& words) {
    Path lines;
    constexpr double apart = 6;
    for (double at = apart; at < box.width + box.height; at += apart) {
      const double x0 = std::min(at, box.width), x1 = std::max(0.0, at - box.height);
      lines.move_to({box.x + x0, box.y + (at - x0)});
      lines.line_to({box.x + x1, box.y + (at - x1)});
    }
    add_path(drawing_, std::move(lines), Stroke{0.35, rest_ink});
    if (words.empty()) return;
    const std::string fitted = fit_text(words, small_, box.width - 6);
    const double width = text_width(fitted, small_) + 4, top = box.y + day_line_ + (band_ - small_) / 2 - 1;
    add_box(drawing_, {box.x + 3, top, width, small_ + 3}, std::nullopt, paper);
    add_text(drawing_, {box.x + 5, top + 1.5 + ascent * small_}, fitted,
             {.size = small_, .colour = quiet_ink});
  }

  void grid(const Week& week, double height) {
    for (const double y : {0.0, height}) add_line(drawing_, {left_, y}, {right_, y}, Stroke{0.5, grid_ink});
    for (int i = 0; i <= 7; ++i)
      add_line(drawing_, {x_of(i), 0}, {x_of(i), height}, Stroke{i == 0 || i == 7 ? 0.5 : 0.25, grid_ink});
    for (int i = 0; i < 7; ++i) {
      const Day day = week.monday + days{i};
      const unsigned number = static_cast<unsigned>(dates::year_month_day{day}.day());
      // Mondays have their month: the page may be one that does not begin with a month.
      const std::string words = i == 0 || number == 1 ? short_day_words(day) : std::to_string(number);
      add_text(
          drawing_, {x_of(i) + 3, 2 + ascent * number_}, fit_text(words, number_, x_of(1) - x_of(0) - 4),
          {.size = number_, .bold = number == 1 && inside(day), .colour = inside(day) ? ink : outside_ink});
      // A month's first day has a heavy line to its left, and its first seven one above.
      if (!inside(day)) continue;
      if (number <= 7 && inside(day - days{7}))
        add_line(drawing_, {x_of(i), 0}, {x_of(i + 1), 0}, Stroke{1.1, ink, 0, true});
      if (number == 1 && i > 0 && inside(day - days{1}))
        add_line(drawing_, {x_of(i), 0}, {x_of(i), height}, Stroke{1.1, ink, 0, true});
    }
  }

  void margin_words(const Week& week) {
    const double baseline = 2 + ascent * number_;
    for (int i = 6; i >= 0; --i) {
      const Day day = week.monday + days{i};
      if (!inside(day) || (dates::year_month_day{day}.day() != dates::day{1} && day != calendar_.first))
        continue;
      const std::string words = month_words(month_of(day));
      add_text(drawing_, {0, baseline},
               fit_text(words.substr(0, 3) + words.substr(words.rfind(' ')), number_, left_ - 4, true),
               {.size = number_, .bold = true});
      break;
    }
    const std::string number = iso_week(week.monday);
    add_text(drawing_, {0, baseline + small_ * 1.5}, number.substr(number.find('W')),
             {.size = small_, .colour = quiet_ink});
    add_text(drawing_, {style_.content_width(), day_line_ + band_ / 2 + cap_height * small_ / 2},
             fit_text(week.words, small_, style_.content_width() - right_ - 4),
             {.size = small_, .anchor = Anchor::end, .colour = quiet_ink});
  }

  /// Round where the band begins and ends, straight where it goes on in another week.
  static Path outline(const Box& box, bool begins, bool ends) {
    const double round = std::min({4.0, box.width / 2, box.height / 2}), k = 0.45 * round;
    const double left = begins ? round : 0, right = ends ? round : 0;
    Path out;
    out.move_to({box.x + left, box.y});
    out.line_to({box.right() - right, box.y});
    if (ends) out.curve_to({box.right() - k, box.y}, {box.right(), box.y + k}, {box.right(), box.y + round});
    out.line_to({box.right(), box.bottom() - right});
    if (ends)
      out.curve_to({box.right(), box.bottom() - k}, {box.right() - k, box.bottom()},
                   {box.right() - round, box.bottom()});
    out.line_to({box.x + left, box.bottom()});
    if (begins)
      out.curve_to({box.x + k, box.bottom()}, {box.x, box.bottom() - k}, {box.x, box.bottom() - round});
    out.line_to({box.x, box.y + left});
    if (begins) out.curve_to({box.x, box.y + k}, {box.x + k, box.y}, {box.x + round, box.y});
    out.close();
    return out;
  }

  void stretch(const Stretch& part) {
    const CalendarBand& band = calendar_.bands[part.band];
    const Box box{x_of(part.from), day_line_, x_of(part.to) - x_of(part.from), band_};
    begin_group(drawing_, clean_text(band.words.empty() ? band.name : band.words), box);
    add_path(drawing_, outline(box, part.begins, part.ends), Stroke{0.7, ink}, band.colour, true);
    // The name where there is room for most of it, else the tag, else nothing: a sliver of a day.
    const std::string tag = clean_text(band.tag), whole = tag + " " + clean_text(band.name);
    const double room = box.width - 7;
    std::string words = fit_text(whole, small_, room, true);
    if (words.size() < tag.size() + 8 && words != whole) words = tag;
    if (text_width(words, small_, true) <= room + 3)
      add_text(drawing_, {box.x + 4, box.y + band_ / 2 + cap_height * small_ / 2}, words,
               {.size = small_, .bold = true, .colour = readable_ink(band.colour)});
    end_group(drawing_);
  }

  void trail(const Trail& part) {
    const CalendarBand& band = calendar_.bands[part.band];
    const double top = day_line_ + band_ + 3 + static_cast<double>(part.lane) * lane_;
    const double middle = top + lane_ / 2 - 1, size = small_;
    double end = x_of(part.to);
    if (part.flagged) {
      const std::string words = fit_text(band.tag + " " + band.flag_words, size, x_of(1) - x_of(0) - 8, true);
      const double width = text_width(words, size, true) + 6;
      const Box box{end - width - 1.5, top, width, lane_ - 2};
      add_box(drawing_, box, Stroke{0.7, ink, 0, true}, ink);
      add_text(drawing_, {box.x + 3, middle + cap_height * size / 2}, words,
               {.size = size, .bold = true, .colour = paper});
      end = box.x;
    }
    const std::string tag = fit_text(band.tag, size, lane_ * 2);
    const double begin = x_of(part.from) + 3;
    const double after = begin + text_width(tag, size) + 2;
    if (after > end - 4) return;
    add_text(drawing_, {begin, middle + cap_height * size / 2}, tag, {.size = size});
    add_line(drawing_, {after, middle}, {end - 1, middle}, Stroke{0.6, ink, 2});
  }

  const Calendar& calendar_;
  const PageStyle& style_;
  double small_ = 0, number_ = 0, band_ = 0, lane_ = 0, day_line_ = 0, left_ = 0, right_ = 0;
  std::vector<Week> weeks_;
  Drawing drawing_;  ///< of the week that is drawn
};

}  // namespace

std::vector<Fragment> lay_out_calendar(const Calendar& calendar, const PageStyle& style) {
  std::vector<Fragment> out = CalendarSetter(calendar, style).run();
  const double size = style.text_size * 0.9;
  for (const std::string& note : calendar.notes) {
    bool first = &note == &calendar.notes.front();
    for (const std::string& line : wrap_text(note, size, style.content_width())) {
      Fragment next;
      next.drawing.width = style.content_width();
      next.drawing.height = size * style.line_height;
      next.space_before = first ? size : 0;
      first = false;
      out.back().keep_with_next = true;
      add_text(next.drawing, {0, ascent * size}, line, {.size = size, .colour = quiet_ink});
      out.push_back(std::move(next));
    }
  }
  return out;
}

Drawing draw_calendar(const Calendar& calendar, const PageStyle& style) {
  constexpr double margin = 12;
  Drawing out;
  out.name = id_from(calendar.name);
  out.title = clean_text(calendar.title);
  out.description = clean_text(calendar.description);
  out.width = style.content_width() + 2 * margin;
  const double size = 1.6 * style.text_size;
  double y = margin;
  for (const std::string& line : wrap_text(calendar.title, size, style.content_width(), true)) {
    add_text(out, {margin, y + ascent * size}, line, {.size = size, .bold = true});
    y += size * 1.25;
  }
  for (Fragment& each : lay_out_calendar(calendar, style)) {
    y += each.space_before;
    const double height = each.drawing.height;
    append(out, std::move(each.drawing), {margin, y});
    y += height;
  }
  out.height = y + margin;
  return out;
}

}  // namespace wale::render
