import { addDays, localOf, weekdayOf } from '../server/core/calendar/zone.ts';
import type { Calendar, DayShift, Plant } from '../server/core/setup/plant.ts';
import type { Instant, LocalTime } from '../server/core/units.ts';

/** Minutes into the day shift at which the demo opens. */
const OPENS_AFTER = 270;
const DAY = 1_440;

/**
 * The demo plant with its shifts moved on the clock so that `now` lies in mid-shift, and a shift on today whatever
 * weekday it is: someone who tries the program in the evening or on a Sunday still sees a line at work.
 */
export function shiftCalendarTo(plant: Plant, now: Instant): Plant {
  const first = plant.calendars[0]?.shifts[0];
  if (!first) return plant;
  const { date, time } = localOf(plant.timeZone, now);
  const start = Math.floor((minuteOf(time) - OPENS_AFTER + DAY) / 15) * 15;
  const by = (start - minuteOf(first.start) + DAY) % DAY;
  const shiftDay = start < DAY ? addDays(date, -1) : date;
  const moved = (shift: DayShift): DayShift => ({
    name: shift.name,
    start: moveTime(shift.start, by),
    end: moveTime(shift.end, by),
    breaks: shift.breaks.map((pause) => ({ start: moveTime(pause.start, by), end: moveTime(pause.end, by) })),
  });
  const calendars = plant.calendars.map((calendar): Calendar => {
    const shifts = calendar.shifts.map((shift) => ({ ...moved(shift), weekdays: shift.weekdays }));
    const worksToday = shifts.some((shift) => shift.weekdays.includes(weekdayOf(shiftDay)));
    const exceptions = calendar.exceptions.filter((exception) => exception.date !== shiftDay);
    if (!worksToday) exceptions.push({ date: shiftDay, kind: 'overtime', shifts: shifts.slice(0, 1).map(moved0), note: 'Demo day' });
    return { ...calendar, shifts, exceptions };
  });
  return { ...plant, calendars };
}

function moved0({ name, start, end, breaks }: DayShift): DayShift {
  return { name, start, end, breaks };
}

function minuteOf(time: LocalTime): number {
  const [hours = 0, minutes = 0] = time.split(':').map(Number);
  return hours * 60 + minutes;
}

function moveTime(time: LocalTime, by: number): LocalTime {
  const minute = (minuteOf(time) + by) % DAY;
  return `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
}
