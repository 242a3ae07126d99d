using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;

namespace CaliperStation.Core.Tests.Simulation;

/// <summary>What a write came to.</summary>
internal enum Written
{
    /// <summary>On the disk.</summary>
    Acknowledged,

    /// <summary>Refused: the disk is full. Nothing of it is there.</summary>
    Full,

    /// <summary>The power went: the line may be there, be torn, or be lost.</summary>
    PowerCut,
}

/// <summary>A journal of lines on a disk that fills up, and that tears or loses the line it was writing when the power goes.</summary>
internal sealed class SimulatedDisk(Random random)
{
    private const double FillsUp = 0.004;
    private const double PowerGoes = 0.006;

    private readonly List<string> _lines = [];   // without the end of line; the last may be torn
    private bool _torn;
    private int _full;

    /// <summary>A fault-free disk writes all.</summary>
    internal bool IsSound { get; init; }

    internal int Cuts { get; private set; }

    internal int Refusals { get; private set; }

    internal Written Append(SittingEvent happened)
    {
        string line = $"{FileWords.Instant(happened.At)} {SittingEventJson.Kind(happened)} {SittingEventJson.Body(happened)}";
        if (!IsSound && _full == 0 && random.NextDouble() < FillsUp)
        {
            _full = random.Next(1, 12);   // so many writes are refused before somebody makes room
        }

        if (_full > 0)
        {
            _full--;
            Refusals++;
            return Written.Full;
        }

        if (!IsSound && random.NextDouble() < PowerGoes)
        {
            Cuts++;
            switch (random.Next(3))
            {
                case 0:
                    _lines.Add(line);
                    break;
                case 1:
                    _lines.Add(line[..random.Next(1, line.Length)]);
                    _torn = true;
                    break;
                default:
                    break;
            }

            return Written.PowerCut;
        }

        _lines.Add(line);
        return Written.Acknowledged;
    }

    /// <summary>Somebody made room, or the bench was restarted.</summary>
    internal void MakeRoom() => _full = 0;

    /// <summary>The events on the disk; a torn last line is cut off.</summary>
    internal List<SittingEvent> Read()
    {
        if (_torn)
        {
            _lines.RemoveAt(_lines.Count - 1);
            _torn = false;
        }

        return [.. _lines.Select(Parse)];
    }

    /// <summary>The event as it is read from the last line.</summary>
    internal SittingEvent Last() => Parse(_lines[^1]);

    private static SittingEvent Parse(string line)
    {
        string[] parts = line.Split(' ', 3);
        return SittingEventJson.Read(parts[1], parts[2], DateTimeOffset.Parse(parts[0], System.Globalization.CultureInfo.InvariantCulture))
            ?? throw new SimulationFault($"an acknowledged line cannot be read: {line}");
    }
}
