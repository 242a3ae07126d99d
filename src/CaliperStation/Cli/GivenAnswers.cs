using CaliperStation.Core.Standards;
using CaliperStation.Files;

namespace CaliperStation.Cli;

/// <summary>Answers given on the command line as <c>id=value</c>.</summary>
internal static class GivenAnswers
{
    /// <summary>The answers by their question.</summary>
    /// <exception cref="StationException">Exit 2: a question or an answer that the standard does not know.</exception>
    internal static Dictionary<string, string> Of(Standard standard, IReadOnlyList<string> given)
    {
        Dictionary<string, string> answers = [];
        foreach (string text in given)
        {
            int equals = text.IndexOf('=', StringComparison.Ordinal);
            (string question, string answer) = equals < 0 ? (text.Trim(), "") : (text[..equals].Trim(), text[(equals + 1)..].Trim());
            if (Plan.Answered(standard, question, answer) is { } complaint)
            {
                throw new StationException(ExitCode.Usage, $"--answer: {complaint}.");
            }

            answers[question] = answer;
        }

        return answers;
    }
}
