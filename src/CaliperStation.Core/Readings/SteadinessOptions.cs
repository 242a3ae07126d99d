using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Readings;

/// <summary>When a stream of values counts as steady.</summary>
/// <param name="Values">At least so many values in a row; 2 or more.</param>
/// <param name="Span">Over at least so long.</param>
/// <param name="Band">Largest minus smallest at most this; never taken as less than two steps of the display.</param>
/// <param name="OldAfter">A value older than this at the press is not taken.</param>
/// <param name="BreakAfter">A pause this long between two values ends a run: the hand may have moved meanwhile.</param>
public sealed record SteadinessOptions(int Values, TimeSpan Span, Length Band, TimeSpan OldAfter, TimeSpan BreakAfter)
{
    /// <summary>Three values over 100 ms within 0.05 mm, not older than 500 ms, with no pause of a second.</summary>
    /// <remarks>
    /// A hand at rest on the jaws lets the last digits of a 0.01 mm display run over about ±0.02 mm (common practice, no source), a spread of
    /// 0.04 mm; 0.05 mm lets that pass and is a sixteenth of a tick, so that no gap is judged wrongly for it. Two steps keep a coarse display (0.0005 in
    /// and more) from never being steady. Three values because a wrong single frame is then never taken; the slowest free-running instruments published
    /// send each 330 ms, so a second without a value is a pause.
    /// </remarks>
    public static SteadinessOptions Default { get; } = new(
        3, TimeSpan.FromMilliseconds(100), Length.FromMicrometres(50), TimeSpan.FromMilliseconds(500), TimeSpan.FromSeconds(1));
}
