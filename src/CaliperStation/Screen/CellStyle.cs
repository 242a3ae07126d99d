
namespace CaliperStation.Screen;

/// <summary>What a cell of the screen means; <see cref="BenchColours"/> alone knows how each meaning looks.</summary>
internal enum CellStyle
{
    /// <summary>Ordinary text and blank ground.</summary>
    Ground,

    /// <summary>Of less weight: lines between the regions, what is still to come, what is moving.</summary>
    Quiet,

    /// <summary>What is to be read first: the prompt, the value, the current line.</summary>
    Strong,

    /// <summary>An item's name over its steps; the header.</summary>
    Heading,

    /// <summary>The verdict within.</summary>
    Within,

    /// <summary>The verdict borderline.</summary>
    Borderline,

    /// <summary>The verdict outside.</summary>
    Outside,

    /// <summary>A caution, and trouble with the caliper.</summary>
    Caution,

    /// <summary>The gap to be measured.</summary>
    Gap,

    /// <summary>A key's name, and what is being typed.</summary>
    Key,
}
