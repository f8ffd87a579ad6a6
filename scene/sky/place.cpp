#include "scene/sky/place.h"

#include <chrono>
#include <cmath>

#include <fmt/format.h>

namespace lampflight {
namespace {

using Days = std::chrono::sys_days;

/// The local clock at the nearest second.
struct Clock {
    std::chrono::year_month_day date;
    int second;  ///< of the day
};

Clock clock_of(const Moment& moment) {
    const auto local_s =
        static_cast<long long>(std::floor(moment.unix_s + 0.5)) + 60LL * moment.offset_min;
    const auto time = std::chrono::sys_seconds(std::chrono::seconds(local_s));
    const Days day = std::chrono::floor<std::chrono::days>(time);
    return {std::chrono::year_month_day(day), static_cast<int>((time - day).count())};
}

}  // namespace

double midnight_unix_s(int year, int month, int day) {
    const std::chrono::year_month_day date{std::chrono::year(year),
                                           std::chrono::month(static_cast<unsigned>(month)),
                                           std::chrono::day(static_cast<unsigned>(day))};
    return 86400.0 * static_cast<double>(Days(date).time_since_epoch().count());
}

int year_of(const Moment& moment) {
    return static_cast<int>(clock_of(moment).date.year());
}

std::string clock_text(const Moment& moment) {
    const int second = clock_of(moment).second;
    return fmt::format("{:02}:{:02}:{:02}", second / 3600, second / 60 % 60, second % 60);
}

std::string date_time_text(const Moment& moment) {
    const auto date = clock_of(moment).date;
    const int offset_min = std::abs(moment.offset_min);
    return fmt::format("{:04}-{:02}-{:02}T{}{}{:02}:{:02}", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                       clock_text(moment), moment.offset_min < 0 ? '-' : '+', offset_min / 60,
                       offset_min % 60);
}

}  // namespace lampflight
