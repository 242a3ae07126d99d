using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Files;

namespace CaliperStation.Bench;

/// <summary>What a blouse carries, where the command line did not say: asked for, or taken as the first answers and told.</summary>
internal static class BlouseQuestions
{
    /// <summary>Asks each question that is still open, a line each; an empty line takes the first answer.</summary>
    /// <param name="standard">The standard whose questions are asked.</param>
    /// <param name="answers">The answers so far; the new ones are added.</param>
    /// <param name="input">Where answers come from.</param>
    /// <param name="say">Where questions and refusals go.</param>
    /// <exception cref="StationException">Exit 130: <c>stop</c> or the end of the input; nothing was begun.</exception>
    internal static void Ask(Standard standard, Dictionary<string, string> answers, Func<string?> input, Action<Said> say)
    {
        foreach (Question question in standard.Questions.Where(question => !answers.ContainsKey(question.Id)))
        {
            say(new Said.Questioned(question));
            string? answer = null;
            while (answer is null)
            {
                string line = input() is { } read && read.Trim() is var said && (said != "stop" || question.Answers.Contains(said)) ? said
                    : throw new StationException(ExitCode.Interrupted, "Stopped before it was told what the blouse carries: nothing was begun.");
                answer = line.Length == 0 ? question.Answers[0] : question.Answers.FirstOrDefault(each => each.Equals(line, StringComparison.OrdinalIgnoreCase));
                if (answer is null)
                {
                    string shown = PrintableText.Escape(line.Length > Answer.MaxLineLength ? line[..Answer.MaxLineLength] : line);
                    say(new Said.Refused($"{shown} is no answer to {question.Id}; say one of: {string.Join(", ", question.Answers)}"));
                }
            }

            answers[question.Id] = answer;
        }
    }

    /// <summary>The answers assumed because nobody gave one; empty when all were given.</summary>
    internal static string Assumed(Standard standard, Dictionary<string, string> answers)
    {
        string[] assumed = [.. standard.Questions.Where(question => !answers.ContainsKey(question.Id)).Select(question => $"{question.Id} = {question.Answers[0]}")];
        return assumed.Length == 0 ? "" : $"Assumed: {string.Join(", ", assumed)} (set with --answer or --ask).";
    }
}
