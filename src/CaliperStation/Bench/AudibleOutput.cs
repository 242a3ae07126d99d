using System.Text;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;

namespace CaliperStation.Bench;

/// <summary>A bench that is heard, too: tones and speech by the commands of the settings, beside what it shows.</summary>
/// <param name="shown">Where it is shown.</param>
/// <param name="play">Plays a sound file from its input, or null.</param>
/// <param name="speak">Speaks a line from its input, or null.</param>
/// <param name="show">The bench's unit.</param>
internal sealed class AudibleOutput(IBenchOutput shown, OutsideCommand? play, OutsideCommand? speak, LengthDisplay show) : IBenchOutput
{
    private readonly List<Said> _told = [];

    /// <inheritdoc />
    public void Say(Said said)
    {
        shown.Say(said);
        _told.Add(said);
    }

    /// <inheritdoc />
    public void Ring(Sound sound)
    {
        shown.Ring(sound);
        play?.Give(Sounds.Wave(Sounds.Of(sound).Tones));
    }

    /// <summary>What was told since the last time is spoken as one line.</summary>
    public void Show(BenchState state, TimeSpan now)
    {
        shown.Show(state, now);
        if (_told.Count == 0)
        {
            return;
        }

        string words = speak is null ? "" : SpeechText.Of(_told, show);
        _told.Clear();
        if (words.Length > 0)
        {
            speak!.Give(Encoding.UTF8.GetBytes(words + "\n"));
        }
    }
}
