//! What is meant, in plain characters: at most twelve lines of 72 columns.

pub(super) const HEIGHTS: &str = r"
                                                  _________________
   house |                                       |  street
         |  door sill: heights count from here   |  2 ft above
         |== - - - - - - - - - - - - - - - - - - | - - - - - - - -  0
   ______|     |                                 |
         \     | 8.4 in below                   /
          \    v                               /
           \__________________________________/   ground
";

pub(super) const HOLLOW: &str = r"
   house |
         |  C  lowest opening: a door, a vent, a window
         |== - - - - - - - - - - - - - - - - - - -
         |                                 B  runs on here
   ______|___                         ____________
             \~ ~ ~ ~ ~ ~ ~ ~ ~ ~ ~ ~/            \
              \   standing water    /              \__ street
               \___________________/
                         A  lowest ground
";

pub(super) const SURFACES: &str = r"
   +-----------------------+
   | roof: the half whose  |        seen from above;
   | gutters lead here     |        arrows: where rain runs
   +-----+-----------+-----+
         |  terrace  |
         +-----+-----+        .- - - - - - - - - .
               |              .   neighbour's    .
     lawn  ->  v   <-  lawn  <.   lawn, sloping  .
             ( low place )    .- - - - - - - - - .
";

pub(super) const RAIN: &str = r"
   a table such as the weather service gives (figures invented):

                     once in   2 yr     10 yr    25 yr
            5 min            0.36 in  0.50 in  0.58 in
           15 min            0.69 in  0.97 in  1.13 in
           60 min            1.22 in  1.75 in  2.06 in
             24 h            2.8 in   4.1 in   4.9 in
                                         ^
                          a storm of 10 years: this column
";

pub(super) const WAY_IN: &str = r"
      A  grate                                    basin
   ____#####___________________________________.---------.___
      |     |  ^                               |         |
      |     |  D                               |         |
      |     |  v                               |         |
      |     |==============  E                 |         |
      |~~~~~|            ======================|  ->     |
      |_____|     the pipe falls all the way   |         |
    catch basin                                |         |
      . . . . . . . . . . . . . . . . . . . .  |         |
     : far end o = = = = = = = = = = = = = = ==|  ->     |
      ' ' ' ' '  French drain in its stone ' ' |_________|
";

pub(super) const BASIN: &str = r"
                  |<----- G ----->|
   ground ________.---------------.____  F  rim, with its lid
                  |               |  ^
   pipe comes in  =>              |  |
                  |- - - - - - - -|  |   M  alarm
                  |- - - - - - - -|  H   L  pump starts
                  |    ._____.    |  |
                  |- - | pump|- - |  |   K  pump stops
                  |____|_____|____|  v   floor
   K, L and M are counted from the floor up
";

pub(super) const LINE: &str = r"
                                Q  highest ground
                            ______________
                       ____/              \____   N  outlet
   rim            ____/      .---- P ----.     \__ o
   ______.-----._/    .-----'             '-------' \___ swale, curb ...
         |  .--------'   the buried pipe
         |  |  |
         |  #  |  check valve
         |  |  |
         | pump|
";

pub(super) const CURVE: &str = r"
   height lifted           as on the box (figures invented):
    23 ft |*
    20 ft |      *              0 gpm   23 ft
          |                    15 gpm   20 ft
  14.5 ft |            *       30 gpm   14.5 ft
          |                    40 gpm    8.5 ft
   8.5 ft |                *
          +-------------------- flow
           0     15    30  40 gpm
";

/// The widest line, and the most lines, of a drawing.
#[cfg(test)]
pub(super) const ROOM: (usize, usize) = (72, 12);
