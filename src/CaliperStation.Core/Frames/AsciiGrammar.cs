namespace CaliperStation.Core.Frames;

/// <summary>The line grammars an ASCII instrument may speak; <c>_</c> is a blank, <c>d</c> a digit, <c>c</c> a digit, blank or point.</summary>
/// <remarks>
/// Each is taken from a published interface page; the addresses stand beside the lines the tests decode. A line must fit one
/// of them from its first byte to its last.
/// </remarks>
public enum AsciiGrammar
{
    /// <summary>No grammar fits.</summary>
    None,

    /// <summary><c>[_…][±][_…]d….d…</c>: a number and nothing else. Fixed widths (sign and 8 characters) are a case of it.</summary>
    BareNumber,

    /// <summary><c>[_…][±][_…]d….d…[_]mm|in [&lt;=&gt;] [_d _d]</c>: a number, its unit, a verdict sign, a unit number and a signal strength.</summary>
    NumberUnit,

    /// <summary><c>_×13 _|- c×7 _ in|mm</c>: blank-padded to 24 characters.</summary>
    Padded,

    /// <summary><c>± c×8 ,_ mm|in</c>: 13 characters.</summary>
    CommaUnit,

    /// <summary><c>mm|in [_] [±] d….d…</c>: the unit before the number.</summary>
    UnitFirst,

    /// <summary><c>dd A ± c×8</c>: channel, letter, 12 characters, no unit.</summary>
    ChannelLetter,

    /// <summary><c>d _ AA ± d×8 _ mm|in</c>: channel, two-letter type, value, unit; type <c>MW</c> is a measured value, <c>TO</c> a timeout.</summary>
    ChannelType,

    /// <summary><c>Vx: _ unit(4) _ verdict(3) _ ± d×5.d×6</c>; <c>Nxy:En</c> is its error line.</summary>
    Box,

    /// <summary><c>AA dd , ± d×4.d×4</c>: two-letter code, station number, value, no unit.</summary>
    Coded,

    /// <summary><c>ID mode [unit] [verdict letters] ± d….d…</c>: station, one mode letter, then what the instrument is set to send.</summary>
    Lettered,

    /// <summary>An error, overflow or alarm line.</summary>
    Error,

    /// <summary><c>dddd,FOOTSWITCH,_,dd</c>: a pedal event.</summary>
    Pedal,

    /// <summary>An identification line, a reply or the echo of a command.</summary>
    Words,
}
