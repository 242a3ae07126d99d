using CaliperStation.Bench;
using CaliperStation.Core.Bench;

namespace CaliperStation.Screen;

/// <summary>A bench on a screen: what is told stands in the model, sounds are strokes of the terminal's bell.</summary>
internal sealed class ScreenOutput(BenchScreen screen) : IBenchOutput
{
    private readonly List<Said> _results = [];
    private object? _shown;

    /// <summary>What came of the work, to be printed once the terminal is given back.</summary>
    internal IReadOnlyList<Said> Results => _results;

    /// <summary>The state holds what is to be read, and for how long; results are kept.</summary>
    public void Say(Said said)
    {
        if (said is Said.Compared or Said.Invalidates or Said.Checked or Said.CheckDone or Said.StudyDone)
        {
            _results.Add(said);
        }
    }

    /// <inheritdoc />
    public void Ring(Sound sound) => screen.Bell(Sounds.Of(sound).Bell);

    /// <summary>Nothing is drawn again for a caliper that lies still and sends the same value ten times a second.</summary>
    public void Show(BenchState state, TimeSpan now)
    {
        object seen = (state.Work, state.Caliper.Words, state.Caliper.Shown(now)?.Value, state.Caliper.Steady(now) is null, state.Caliper.Resolution,
            (state.LastVerdict, state.Notice, state.Advice, state.Warning, state.SameCoat, state.Closed), (state.PinsMoved, state.Offered));
        if (!seen.Equals(_shown))
        {
            _shown = seen;
            screen.Post(BenchPresenter.Of(state, now));
        }
    }
}
